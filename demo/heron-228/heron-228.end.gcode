; Heron 228, end: runs after the last layer. The nozzle is hot and still touches the top of the
; part, which may be anywhere on the bed and as tall as the machine.

; Nothing that heats stays on, whatever happens further down
M140 S0                             ; bed off
M104 S0                             ; nozzle off

; The modes that the next lines need
M83                                 ; E is a step
G90                                 ; X Y Z are places
G21                                 ; lengths in mm

G1 E-2.2 F1980                      ; pull back, so that no thread follows the nozzle

; Lift, then bring the part to the front. A part that fills the machine leaves no room to
; lift: then the nozzle stays where it is rather than drag over the top.
{{# part.top + 1 <= reach.top }}
G1 Z{{ min(part.top + 14, reach.top) }} F540
G1 X{{ reach.right - 8 }} Y{{ bed.back - 17 }} F7800
{{/}}

M107                                ; fan off
M84                                 ; motors off, so that the bed can be moved by hand
