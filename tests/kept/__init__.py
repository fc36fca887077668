"""Every figure that the example poles print, kept from one version to the next."""
