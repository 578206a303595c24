; the job may count E either way; what the stripe needs is set here, and what the job needs is set last
G90
M83
G28
M190 S#DECK#
M109 S#TIP#
G1 X203 Y30 Z5 F7200
G1 Z0.26 F360
G1 Y120 E6.2 F1080
G1 Z2 F540
>> if E_IN_STEPS
M83
>> otherwise
M82
G92 E0
>> over
