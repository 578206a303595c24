; half a minute by itself, for the layer to set
G91
M83
G1 E-1 F1800
G1 Z2 F480
G90
G4 S30
G91
G1 Z-2 F480
G1 E1 F1800
G90
