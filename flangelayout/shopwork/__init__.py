"""What a part takes in the shop: its operations in order, and what they cost by the shop's own rates."""
