; another probe is clipped on today: its heights stand here, so that nobody has to remember
M558 P1 H6 F420 T9000
G31 P480 X-22 Y4 Z1.72
G90
M83
M190 S{{ heat.bed.first }}
M104 S{{ heat.nozzle.first - 80 }}
G28
M109 S{{ heat.nozzle.first }}
G1 X150 Y5 Z5 F15000
G1 Z0.26 F1000
G1 X244 E6.6 F1260
G1 Z2.2 F1000
