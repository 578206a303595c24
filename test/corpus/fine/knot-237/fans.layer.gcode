{{# layer.number == 2 }}
M106 P0 S140
M106 P1 S90              ; the fan of the case
M710 S110                ; and the one of the electronics
{{/}}
