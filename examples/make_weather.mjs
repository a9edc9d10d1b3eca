// Writes examples/spring-weather.csv: an invented spring for the demo's unheated garage, a forecast in the columns that
// docs/climate.md names. A yearly and a daily sine, three damp spells; nothing random. node examples/make_weather.mjs
import { writeFileSync } from "node:fs";

const first = Date.UTC(2027, 2, 1); // 1 March 2027
const hours = 24 * 200;
const rows = ["time,temp_c,rh_percent,pressure_pa,wind_m_s"];
const damp = [[20, 24], [47, 50], [83, 86]]; // days from, to
for (let h = 0; h < hours; ++h) {
  const day = h / 24;
  const spell = damp.some(([from, to]) => day >= from && day < to);
  const season = 9 + 11 * Math.sin((2 * Math.PI * (day - 35)) / 365);
  const swing = spell ? 2 : 5.5;
  const temp = season - (spell ? 2.5 : 0) + swing * Math.cos((2 * Math.PI * ((h % 24) - 15)) / 24);
  const rh = spell ? 90 + 4 * Math.cos((2 * Math.PI * ((h % 24) - 4)) / 24) : 64 - 16 * Math.cos((2 * Math.PI * ((h % 24) - 15)) / 24);
  const time = new Date(first + h * 3600e3).toISOString().slice(0, 16);
  rows.push(`${time},${temp.toFixed(1)},${rh.toFixed(0)},101000,${spell ? 3.0 : 1.6}`);
}
writeFileSync(new URL("./spring-weather.csv", import.meta.url), rows.join("\n") + "\n");
