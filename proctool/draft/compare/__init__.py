"""What differs between two procedures, and in what is proven of them."""
