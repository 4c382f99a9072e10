"""How well the notes of an unknown chord are told: recorded pipes and horns mixed, invented horns, what is no chord."""
