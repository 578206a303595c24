G90
M83
M190 S{{ heat.bed.first }}
M104 S{{ heat.nozzle.first }}
G28
M109 S{{ heat.nozzle.first }}
G1 X226 Y20 Z4 F7800
G1 Z0.3 F480
G1 Y112 E7 F1100
G1 Z2 F600
