M140 S{{ heat.bed.first }}
G28
G90
M83
G1 Z40 F900
M192 S38                 ; waits until the probe is warm
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G29.1 Z-0.02             ; today's plate is a little thicker
G1 X4 Y20 F9000
G1 Z0.3 F720
G1 Y104 E6.3 F1140
G1 Z2 F900
