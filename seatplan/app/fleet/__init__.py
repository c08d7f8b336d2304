"""What can be asked about a fleet: many vehicles, many bookings, one store of restraints."""
