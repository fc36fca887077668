"""From fibre to buyer's sheet: telescopic composite poles as one live model."""
