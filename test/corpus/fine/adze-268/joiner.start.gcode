; Adze, everyday. G90 first: on this controller it takes E along, so M83 comes behind it.
G21
G90
M83
M106 S0
M140 S{{ heat.bed.first }}
G28
G1 Z40 F900
M190 S{{ heat.bed.first }}
M104 S{{ heat.nozzle.first - 60 }}
G29
M109 S{{ heat.nozzle.first }}
G0 X-126 Y-116 F12000
G0 Z0.45 F900
G1 X-18 E14.3 F1020
G0 Z0.8 F900
G0 X-9 F9000
G0 Z4 F900
