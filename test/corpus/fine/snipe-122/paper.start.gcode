; The tape is cold and stays cold. One short stripe, then a lift so high that the club's children see the tip.
G90
G21
M82
G28 X Y
G28 Z
G1 Z60 F300
M109 S{{ heat.nozzle.first }}
G4 S8
G92 E0
G1 X20 Y113 F4500
G1 Z0.28 F300
G1 X88 E4.6 F720
G92 E0
G1 Z15 F300
