; bed and tip are hot already when this begins: the program has waited for both
G90
M83
G28
G1 X6 Y60 Z5 F9000
G1 Z0.3 F780
G1 Y150 E6.9 F1140
G1 E-1 F2400         ; the program's first push is this 1 mm
G1 Z2 F780
