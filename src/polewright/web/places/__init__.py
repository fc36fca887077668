"""The places of the app, each a builder of frozen view values for its page."""
