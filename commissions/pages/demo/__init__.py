"""The invented workshop Lanternfold: ten commissions at their stages, told by calling the rooms' own actions."""
