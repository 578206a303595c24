; For the nylon weeks. Filament was dried overnight.
M104 S0
M140 S{{ heat.bed.first }}
M141 S{{ heat.chamber }}
G90
G21
M82
G28
G1 Z180 F1000
M106 S90                     ; the fan stirs the air while the chamber warms: the tip is cold
M191 S{{ heat.chamber }}
M107
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G92 E0
G1 X52 Y5 F15000
G1 Z0.36 F900
G1 X190 E13.8 F1140
G92 E0
G1 Z1.5 F900
