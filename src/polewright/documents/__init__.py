"""What a person writes and keeps, and its way into core values and back."""
