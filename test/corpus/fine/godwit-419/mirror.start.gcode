; two at once, one the mirror of the other
G90
M83
G28
M190 S{{ heat.bed.first }}
M104 T0 S{{ heat.nozzle.first }}
M104 T1 S{{ heat.nozzle.first }}
M109 T0 S{{ heat.nozzle.first }}
M109 T1 S{{ heat.nozzle.first }}
T0
M605 S3
G1 X10 Y302 Z5 F12000
G1 Z0.3 F900
G1 X90 E6 F1200
G1 Z2 F900
