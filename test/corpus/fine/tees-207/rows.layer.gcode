M117 #ROW#/#ROWS#
>> if ROW == 2
M140 S#DECK_ON#
M104 S#TIP_ON#
>> over
