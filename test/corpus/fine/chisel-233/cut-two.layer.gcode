<! provided cut = 2 !>
M104 S<:edge-heat-later:>
M106 S128
<! or provided cut = 4 !>
M106 S255
<! thus far !>
