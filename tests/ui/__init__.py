"""The kit the pages are made of."""
