"""Pairing and least largest misfit, shared by mating and inspection."""
