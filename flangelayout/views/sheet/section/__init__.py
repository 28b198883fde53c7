"""The section beside the face view: what its plane meets, how it is drawn, what is said of it."""
