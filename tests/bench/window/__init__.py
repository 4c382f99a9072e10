"""The program as a whole: how soon its window is there, how soon it answers, what it costs, what it loses."""
