"""Requests and answers."""
