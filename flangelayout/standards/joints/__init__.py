"""What a bolted joint is made of beside its holes: fits, screws and their lengths, strengths, torque."""
