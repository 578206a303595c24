; the right carriage rides on U: homed by name, and out of the way
G28 Y
G28 X U
G28 Z
G90
M83
M190 S{{ heat.bed.first }}
T0
M109 S{{ heat.nozzle.first }}
G1 X4 Y10 Z4 F12000
G1 Z0.3 F900
G1 Y110 E7.5 F1260
G1 U480 F12000
G1 Z2 F900
