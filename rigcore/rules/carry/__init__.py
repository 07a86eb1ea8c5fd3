"""Rules about what is carried: the weight of a case, the room in a rack, and spares."""
