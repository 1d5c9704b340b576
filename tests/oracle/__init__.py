"""A slow nursery written apart from the program, against which the program's counting is tested, and keepers' records to try it on."""
