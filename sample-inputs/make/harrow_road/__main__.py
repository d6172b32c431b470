"""Makes `sample-inputs/harrow-road`."""

import pathlib
import shutil

from harrow_road import accounts, contract, crew, lab, plants, steps, steps_slab
from harrow_road.plan import placements


def main():
    folder = pathlib.Path(__file__).resolve().parents[2] / "harrow-road"
    shutil.rmtree(folder, ignore_errors=True)
    field = folder / "field"
    folder.mkdir(parents=True)
    contract.write(folder)
    built = placements()
    plants.produce(built)
    accounts.plant_faults(built)
    plants.plant_a(field / "plants", built)
    plants.plant_b(field / "plants", built)
    accounts.batch_weights(field / "plants", built)
    accounts.invoices(field / "invoices", built)
    accounts.materials(field / "crew", built)
    levels = accounts.base_levels(field / "crew")
    crew.placement_log(field / "crew", built)
    probes = crew.depth_checks(field / "crew", built)
    fresh = crew.fresh_tests(field / "inspector", built)
    crew.measured(field / "inspector")
    cores = lab.core_sheet(field / "lab", built)
    cylinders = lab.cylinder_sheets(field / "lab", built)
    steps.write(field, built)
    steps_slab.write(field, built)
    loads = sum(len(p.loads) for p in built)
    print(f"harrow-road: {len(built)} placements, {loads} loads, {cores} cores, {probes} depth checks, {cylinders} cylinders, {fresh} fresh tests, {levels} levels")


if __name__ == "__main__":
    main()
