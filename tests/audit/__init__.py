"""Tests of the inspection of a knowledge base and of the trainer's commands."""
