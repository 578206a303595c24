; Poplar 164, end: runs after the last layer, with the hot nozzle on top of a part that may be
; 391 mm tall.

M104 S0                             ; nozzle off
M141 S0                             ; chamber off: it cools with the door closed
M140 S0                             ; bed off
M107                                ; fan off

M83                                 ; E is a step
G90                                 ; X Y Z are places
G21                                 ; lengths in mm
G1 E-2.9 F1620                      ; let go of the part

; Lift and wait at the front left, on the brush's side. The camera post stands at the back right: a
; path to the front left stays clear of it from anywhere on the bed. Without room to lift the nozzle
; stays where it is.
{{# part.top + 1 <= reach.top }}
G1 Z{{ min(part.top + 19, reach.top) }} F510
G1 X{{ reach.left + 6 }} Y{{ bed.front + 11 }} F7500
{{/}}

M84                                 ; motors off
