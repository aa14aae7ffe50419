import type { Ground, Plan, PlanRequest, SpeciesSummary, Status } from './api';

/** What the three views share: the ground, the start that was clicked, the last plan. */
class Shared {
  status = $state.raw<Status | null>(null);
  species = $state.raw<SpeciesSummary[]>([]);
  ground = $state('');
  start = $state('');
  plan = $state.raw<Plan | null>(null);
  planRequest = $state.raw<PlanRequest | null>(null);
  mapSpecies = $state('');

  get groundSummary(): Ground | undefined {
    return this.status?.grounds.find((each) => each.name === this.ground);
  }
  get today(): string {
    return this.status?.today ?? '';
  }
}

export const shared = new Shared();
