"""The whole program on one machine: data folder, network, processes. Nothing in here needs Django."""
