"""How long the program thinks: about a whistle's plugs, and about a long recording."""
