; The writer of this one thinks in inches, and hands over in mm, since the jobs are in mm.
G20
G90
M83
G28
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G1 Z0.2 F19
G1 X0.4 Y6.2 F240
G1 Z0.006 F12
G1 X3.4 E0.081 F36
G1 Z0.05 F19
G21
G1 Z2 F480
