; Chamber off for the last layers of a tall part, so that it is not opened hot
{{# layer.count > 400 && layer.number == layer.count - 30 }}
M141 S0
{{/}}
