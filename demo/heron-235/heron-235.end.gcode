; Heron 235, end: runs after the last layer. The nozzle is hot and still touches the top of the
; part, which may be anywhere on the bed and as tall as the machine.

G21                                 ; lengths in mm
G90                                 ; X Y Z are places
M83                                 ; E is a step

; 1. Let go of the part: pull the filament back, and start cooling at once
G1 E-2 F1800
M104 S0                             ; nozzle off
M140 S0                             ; bed off
M107                                ; fan off

; 2. Lift, then bring the part to the front. A part that fills the machine leaves no room to
;    lift: then the nozzle stays where it is rather than drag over the top.
{{# part.top + 1 <= reach.top }}
G1 Z{{ min(part.top + 10, reach.top) }} F600
G1 X{{ reach.left }} Y{{ bed.back - 10 }} F6000
{{/}}

; 3. Motors off, so that the bed can be moved by hand
M84
