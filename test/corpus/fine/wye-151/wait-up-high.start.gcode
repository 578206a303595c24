; The tip waits high above the bed; what drips meanwhile is taken away before it comes down.
M107
G21
G28
G90
G1 Z120 F9600
M104 S{{ heat.nozzle.first }}
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
M117 Take the drop away
M300 S880 P200
G4 S6
M117
M82
G92 E0
G1 X0 Y71 F6000
G1 Z0.35 F3000
G1 X-38 Y60 E4.3 F780
G92 E0
G1 Z4 F1500
