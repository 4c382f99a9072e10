"""A club evening with power cuts."""
