"""The tests; see "Tests" in DEVELOPERS.md for how the folders divide them."""
