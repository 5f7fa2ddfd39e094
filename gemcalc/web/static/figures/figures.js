// Small helps for the figures' pages; every page works without them.
