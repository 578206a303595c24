; lines without a letter in front are the controller's own language
G90
M83
G21
if {homed.x and homed.y and homed.z}
  echo "still at home"
else
  G28
var soak = {{ heat.bed.first > 80 ? 300 : 60 }}
M190 S{{ heat.bed.first }}
G28 Z
while {elapsed < soak}
  G4 S1
M109 S{{ heat.nozzle.first }}
G1 X10 Y258 Z4 F14000
G1 Z0.3 F1000
G1 X112 E8 F1200
G1 Z3 F1000
