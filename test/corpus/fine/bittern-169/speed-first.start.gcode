; each speed on a row of its own
G90
G21
M82
M140 S{{ heat.bed.first }}
G28
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G92 E0
G1 F6300
G1 X5 Y30
G1 F480
G1 Z0.28
G1 F1000
G1 Y110 E6.2
G92 E0
G1 F540
G1 Z2
