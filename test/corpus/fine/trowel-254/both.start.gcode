M107
G21
G90
M83
M104 S{{ heat.nozzle.first - 55 }}
M190 S{{ heat.bed.first }}
G28
G29
M109 S{{ heat.nozzle.first }}
G0 X268 Y-5 Z15 F9600
G1 E18 F160            ; bin
G1 E-1 F2400
G0 Z6 F840
G0 X-14 Y200 F12000    ; over the empty bed to the tin
G0 Z0.5 F840
G1 E1 F2400
G1 Y96 E9.6 F1140
G0 Z2 F840
