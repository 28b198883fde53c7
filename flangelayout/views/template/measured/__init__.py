"""What is measured before a template is used: its scale bars, and lengths across its paper."""
