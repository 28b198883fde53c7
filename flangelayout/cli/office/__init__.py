"""Commands for the office: quotes and travellers."""
