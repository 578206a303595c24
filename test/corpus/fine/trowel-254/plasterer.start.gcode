; stripe on the tin, brush, go
G21
G90
M83
G28
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G1 X-15 Y30 Z4 F9000
G1 Z0.5 F840
G1 Y130 E11 F1080      ; on the tin, not on the bed
G1 E-0.6 F2400
G1 Z3 F840
G1 Y214 F9000
G1 Z0.6 F840
G1 Y228 F4800          ; through the bristles
G1 Y214
G1 Z6 F840
G1 E0.6 F2400
