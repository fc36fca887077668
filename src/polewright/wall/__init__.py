"""The wall of one tube: stiffness, strength, crush, cure and the workshop's rules."""
