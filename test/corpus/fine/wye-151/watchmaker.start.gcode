; Home is at the top here, so it is safe at any time
G28
G21
G90
M82
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G92 E0
G0 X0 Y-70 Z30 F9000
G0 Z0.3 F1200
G1 X31.5 Y-62.5 E3.2 F900
G1 X54 Y-44.5 E6
G92 E0
G0 Z5 F1200
