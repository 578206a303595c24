G90 ; places
M82 ; E is a place
G21 ; mm
G92 E0
M104 S{{ heat.nozzle.first }} ; tip begins
M140 S{{ heat.bed.first }} ; bed begins
G28 X0 Y0 ; the two that are clear of the bed
M190 S{{ heat.bed.first }} ; bed there
M109 S{{ heat.nozzle.first }} ; tip there
G28 Z0 ; last, since it is measured with the warm tip
G1 Z5 F480
G4 P2 ; two seconds
G1 X172 Y12 F5400
G1 Z0.16 F300
G1 Y70 E1.7 F840
G92 E0
G1 Z1.2 F480
