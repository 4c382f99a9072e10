"""How well a whole chord is read: invented chords with known truth, general libraries beside it."""
