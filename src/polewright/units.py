"""The only place where workshop units become SI and back."""
