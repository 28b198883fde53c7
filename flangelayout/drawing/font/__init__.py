"""The one font of every drawing: its file, its license, its width table."""
