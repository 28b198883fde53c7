"""What published tables allow on sizes that state nothing of their own."""
