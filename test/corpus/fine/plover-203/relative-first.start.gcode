; E in steps, said before G90: on this controller G90 is about X, Y and Z alone.
M83
G90
G21
M140 S{{ heat.bed.first }}
M104 S150           ; soft, and not yet dripping
M190 S{{ heat.bed.first }}
G28
G29                 ; on the warm bed, tip still cool
G1 Z14 F540
M109 S{{ heat.nozzle.first }}
G1 X198 Y36 F8000
G1 Z0.25 F540
G1 Y142 E9 F1200    ; right edge, front to back
G1 E-0.5 F2400
G1 Z0.9 F540
G1 Y136 F5400       ; back over the stripe, so that the thread stays on it
G1 E0.5 F2400
G1 Z3 F540
