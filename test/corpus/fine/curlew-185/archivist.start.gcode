(Curlew 185, thick filament. Home first, it is deaf while it heats)
G21
G90
G28
M82
M104 S{{ heat.nozzle.first }}
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G92 E0
G1 Z12 F330
G1 X10 Y4 F5400
G1 Z0.3 F300
G1 X115 E3.3 F900
G92 E0
G1 Z5 F330
