// Every sentence of a plan that the page shows as said by the engines.
import type { Plan } from '../../src/plan';

export function shownOf(plan: Plan): string[] {
  const said = [
    ...plan.findings.flatMap((f) => [f.reason, f.mend, f.source]),
    ...plan.pieces.flatMap((p) => [
      p.late_reason,
      ...p.care,
      p.vapour?.worst_component.replaceAll('_', ' ') ?? '',
      ...p.zones.flatMap((z) => [z.face, z.treatment]),
      ...p.schedule.flatMap((s) => [s.text, s.method, s.product_name, s.reason, s.ready_by_hand, s.why_here, s.pinned?.why ?? '', ...s.notes]),
    ]),
    ...plan.purchases.flatMap((p) => [p.name, p.note]),
    ...plan.taught.messages,
    ...plan.taught.odd,
    ...plan.taught.paces.map((p) => p.kind),
  ];
  return [...new Set(said)].filter((s) => s !== '').sort();
}
