; alles aus, hoch, nach hinten
M104 S0
M140 S0
M107
M83
G1 E-1.8 F1800
G91
G1 Z7 F480 ; über 150 wird hier nie gebaut
G90
G1 X5 Y150 F5400
M84
