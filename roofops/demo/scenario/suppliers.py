"""The invented firms that bring material and containers to Westmere yard's jobs."""

from datetime import time

from roofops.demo.story import SupplierStory

SUPPLIERS = (
    SupplierStory("Ledgewood Supply", "materials", "555-0151", 4, time(13, 0), 12_000),
    SupplierStory("Harrow & Daughter Building Supply", "materials", "555-0152", 2, time(11, 30), 18_000),
    SupplierStory("Tinker Creek Containers", "dumpsters", "555-0153", 4, time(14, 0), 16_000),
)
