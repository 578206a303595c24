; Only the left nozzle prints in the jobs of this list; the right one stays cold.
T0
M83
G90
M104 T0 S{{ heat.nozzle.first }}
M190 S{{ heat.bed.first }}
M109 T0 S{{ heat.nozzle.first }}
G28
G1 X10 Y206 Z4 F7800
G1 Z0.26 F720
G1 X96 E6.1 F1140
G1 X118 F4200
G1 Z1.8 F720
