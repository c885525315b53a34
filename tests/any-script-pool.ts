/** An invented pool with names in Greek, Cyrillic, Arabic, Chinese, and emoji; all of them differ. */
export const lanes = ["حارة ١", "حارة ٢"] as const;
export const devices = ["Дорожка 1", "触摸板"] as const;
export const [emoji, greek] = ["🏊‍♀️", "πρίζα"];

/** Its pool file. */
export const yaml = `pool: "Όρμος ${emoji}"
model: plain
lanes: ${JSON.stringify(lanes)}
devices: ${JSON.stringify(devices)}
meters: [{ name: "μετρητής", load_ohms: 1000, resolution: 0.01 }]
chain:
  - { point: ${greek}, connector: "Штекер", shared_by: lane, wire_ohms: 2 }
  - { point: "${emoji}", connector: "插头", shared_by: device, wire_ohms: 0.3 }
costs: { check_weeks: 13, horizon_years: 2 }
`;

/** Three walks by Ohm's law; the first lane's first device is behind 30, 60, 120 ohm, the second's second behind 70. */
export function season(): string {
  const rows = ["taken_at,lane,device,point,volts,by,note"];
  for (const [walk, day] of ["2026-05-02", "2026-05-09", "2026-05-16"].entries())
    for (const lane of lanes)
      for (const device of devices)
        for (const [k, point] of [greek, emoji].entries()) {
          const ohms = lane === lanes[0] ? 30 * 2 ** walk : 70;
          const bad = k === 1 && lanes.indexOf(lane) === devices.indexOf(device) ? ohms : 0;
          const volts = (5000 / (1002.4 + 0.5 * k + bad)).toFixed(2);
          rows.push([day, lane, device, point, volts, "Ω. Β.", "заметка 备注"].join(","));
        }
  return `${rows.join("\n")}\n`;
}
