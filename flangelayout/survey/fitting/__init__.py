"""From readings to the circle that agrees best with them, and what it is good to."""
