"""How often a leak is suspected before any check, on invented whistles."""
