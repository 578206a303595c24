; lets a touched filament sensor and the part light speak
M412 S1
M355 S1 P180
M150 R0 U80 B200
M117 Warming
M190 S{{ heat.bed.first }}
M104 S{{ heat.nozzle.first }}
G28
M109 S{{ heat.nozzle.first }}
M150 R255 U255 B255
M117 {{ job.name }}
G90
M83
G12 P1 S2 T3             ; the controller's own cleaning, over its brush
G1 X20 Y334 Z6 F18000
G1 Z0.32 F900
G1 X136 E9.3 F1320
G1 Z2 F1200
