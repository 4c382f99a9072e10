"""How well the program listens: what it loses, what it costs, how soon it says that the device went or came."""
