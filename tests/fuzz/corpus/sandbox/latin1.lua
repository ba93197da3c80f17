-- A title in Latin-1.
vehicle { title = "Café" }
