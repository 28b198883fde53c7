"""Pages for the office: the quote work sheet and the traveller."""
