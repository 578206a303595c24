; hooks in PETG, all day: fixed heats
G21 ;mm
G90 ;places
M83 ;steps
M140 S74 ;bed
M104 S160 ;tip, not dripping
G28 ;home
M190 S74 ;bed there
M109 S236 ;tip there
G1 X163 Y10 Z3 F6600 ;front right
G1 Z.3 F420 ;down
G1 Y78 E5.4 F1020 ;stripe
G1 X162.3 ;beside it
G1 Y40 E3 ;and half back
G1 Z1.5 F540 ;up
