; Otter 150, end. The nozzle is hot and touches the top of the part.

G21                                 ; lengths in mm
G90                                 ; X Y Z are places
M83                                 ; E is a step
G1 E-1.5 F1800                      ; let go of the part
M104 S0                             ; nozzle off
M140 S0                             ; bed off
M107                                ; fan off

; Lift, then bring the bed forward. A part that fills the machine leaves no room: then stay.
«when piece.height + 2 <= reach.top»
G1 Z«min(piece.height + clearance, reach.top)» F400
G1 X«reach.left» Y«bed.back - 5» F6000
«done»

M84                                 ; motors off
