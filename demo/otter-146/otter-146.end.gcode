; Otter 146, end. The nozzle is hot and touches the top of the part.

M104 S0                             ; tip off
M140 S0                             ; bed off
M107                                ; fan off

G90                                 ; X Y Z are places
G21                                 ; lengths in mm
M83                                 ; E is a step
G1 E-1.7 F1500                      ; let go of the part

; Lift, then bring the bed forward. A part that fills the machine leaves no room: then stay.
«when piece.height + 2 <= reach.top»
G1 Z«min(piece.height + clearance, reach.top)» F390
G1 X«bed.right» Y«bed.back - 9» F5700
«done»

M84                                 ; motors off
